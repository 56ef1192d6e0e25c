package android.content.res;

public class Resources {
    public Configuration getConfiguration() {
        return fake.World.looks;
    }
}
