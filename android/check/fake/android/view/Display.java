package android.view;

public final class Display {
    public int getRotation() {
        return fake.World.turned;
    }
}
